"""What may be claimed and must be shown. This program certifies nothing."""
