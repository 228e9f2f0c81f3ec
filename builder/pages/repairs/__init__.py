"""Repairs as pages: what a customer reads, what the workshop keeps, and what wear looks like."""
