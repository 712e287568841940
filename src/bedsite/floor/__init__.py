"""See the modules: floor of the site."""
