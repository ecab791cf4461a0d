"""The words of the map, as the page's script gets them too."""

from jointmap.wording.families import of_subject

SENTENCES = of_subject("map_page")
