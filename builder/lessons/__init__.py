"""What learners are asked of a movement."""
