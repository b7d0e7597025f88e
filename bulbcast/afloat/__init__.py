"""The float test, its findings and what to do about them."""
