"""Sums of counts: what a train comes to, what is missing from it, which trains would do. All of it is exact."""
