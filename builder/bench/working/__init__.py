"""What every sum shares: how a question is read, how the working is kept line by line, and how it is written out."""
