"""From a System to the graph of its signal chain, and the subjects that facts and rules speak of."""
