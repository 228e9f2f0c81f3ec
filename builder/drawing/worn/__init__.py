"""What wear looks like: the same part new and worn, from the actual geometry, two drawings to one scale."""
