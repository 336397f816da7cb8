"""How fast a pot dries: learned from its readings, forecast with a range. Needs numpy.

docs/drydown.md tells how it works; `filter` is what events go through, `forecast` what comes out.
"""
