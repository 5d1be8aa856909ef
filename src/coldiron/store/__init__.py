"""What is kept between runs although it can be made again: one cache for all of it."""
