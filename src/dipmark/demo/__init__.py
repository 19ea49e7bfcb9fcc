"""The invented yard: thirteen trucks, two years, every kind of trouble, made by a seeded function."""

from dipmark.demo.make import demo_facts, make_demo

__all__ = ["demo_facts", "make_demo"]
