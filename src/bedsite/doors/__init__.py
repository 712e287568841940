"""See the modules: doors of the site."""
