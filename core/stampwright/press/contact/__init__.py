"""Contact mechanics on regular height maps: what pressure holds a face against paper."""
