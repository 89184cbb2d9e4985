"""The working screen: one lock, its steps, its drawing and its findings."""
