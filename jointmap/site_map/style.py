"""Colours of the map; each only repeats what a shape already says.

The fills are the colour-blind-safe set of Okabe and Ito, "Color Universal Design"
(2008), from memory: sky blue and reddish purple lightened, vermillion darkened, so that
a grey print keeps open light and filled dark.
"""

INK = "#1a1a1a"
PAPER = "#ffffff"
ACCENT = "#0b4f6c"
LINE = "#5a5a5a"
QUIET = "#6b6b6b"

# by Verdict: isolating, doubtful, shorted, inconclusive, not tested
TINTS = ("#d3ebf8", "#f2b733", "#a84300", "#ecc6da", "#ffffff")
