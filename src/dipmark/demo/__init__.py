"""The invented yard: thirteen trucks and one that was sold, two years, every kind of trouble, all from a seed."""

from dipmark.demo.make import demo_facts, make_demo
from dipmark.demo.sign_ins import make_sign_ins

__all__ = ["demo_facts", "make_demo", "make_sign_ins"]
