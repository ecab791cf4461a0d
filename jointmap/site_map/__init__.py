"""The joint map: one page that opens from disk, the glyph, and small maps in SVG.

``page`` is the only module that needs folium: import it where a map is made.
"""
