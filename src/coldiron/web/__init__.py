"""The page in the yard: the same job on a phone. Its libraries come with the extra `page`."""
