"""One file a kind of part: teeth, power sources, oscillators, escapements."""
