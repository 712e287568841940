"""The weigh-up: from a brief to builds none of which another beats in everything. It calls forward into every room."""
