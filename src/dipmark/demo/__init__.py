"""The invented yard: thirteen trucks and one that was sold, two years, every kind of trouble, all from a seed."""

from dipmark.demo.make import demo_facts, make_demo

__all__ = ["demo_facts", "make_demo"]
