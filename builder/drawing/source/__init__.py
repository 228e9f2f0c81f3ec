"""What drives the train, drawn through one winding: spring, barrel, weight, fusee, ratchet and click."""
