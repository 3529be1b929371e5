"""Parts that several pieces share: hole cutters, seal grooves, pockets, columns and lips."""
