"""The core: sprung mattresses from the brief to the loaded vehicle, importable from a notebook.

No web, database, HTTP, clock, environment or unseeded random in here.
"""

__version__ = "0.1.0"
