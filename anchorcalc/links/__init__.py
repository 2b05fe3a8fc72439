"""The links of an anchor: one small function each, from an anchor in numbers and a pull to a strength.

`common` says what a link is given and how the two levels are made; the other modules hold the links
themselves, by the part that lets go.
"""
