"""Attempts at cases, their grades, and what a school learns from them."""
