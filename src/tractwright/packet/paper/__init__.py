"""The words and figures of the packet on paper, as plain rows of text."""
