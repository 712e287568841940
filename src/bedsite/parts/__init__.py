"""See the modules: parts of the site."""
