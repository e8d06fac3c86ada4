"""What the customer reads: what they will hear, what they give up and why, what it costs, how long it takes."""
