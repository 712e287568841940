"""See the modules: office of the site."""
