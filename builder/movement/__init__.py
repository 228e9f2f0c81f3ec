"""The validated model of one movement, and how it is read from a file."""
