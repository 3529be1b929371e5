"""Stock, reach of cutters, holding, time, price."""
