"""The pages in a real browser, on a service of their own."""
