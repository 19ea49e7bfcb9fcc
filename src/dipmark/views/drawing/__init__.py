"""Our own outlines of the kinds of truck, from the side and from above, with the places of the walk-round on them.

Every kind is put together from parts that the kinds share, by a few invented lengths: no maker's truck is drawn. `draw`
gives the drawing as data, `svg` the same as text.
"""
