"""The map of a lock: what room there is, over two of its dimensions."""
