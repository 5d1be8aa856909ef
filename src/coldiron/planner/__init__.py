"""The cheapest order of tests, and test or repair, on plain numbers: it knows nothing of machines."""
