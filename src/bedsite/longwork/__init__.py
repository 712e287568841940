"""See the modules: longwork of the site."""
