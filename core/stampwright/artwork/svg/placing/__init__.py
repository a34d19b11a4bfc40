"""Where and how an element is drawn: boxes, transforms, viewports, and what it takes over from what holds it."""
