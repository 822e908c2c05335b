"""Taking back: stock is moved back, what was written over is said again, what was added is withdrawn."""
