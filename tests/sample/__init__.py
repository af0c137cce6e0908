"""Made-up jobs that tests start from, and ways to change them."""
