"""What is cut: strips, pleats, flounces, lays, and what to buy."""
