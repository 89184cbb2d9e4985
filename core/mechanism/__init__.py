"""Key and bolt as numbers: tooth, law of motion, sweep, contact, statics. Nothing here knows a lock."""
