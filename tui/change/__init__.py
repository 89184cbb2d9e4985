"""The change view: one dimension set otherwise, before and after over each other."""
