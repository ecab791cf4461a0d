"""One formula each, with its title, inputs and source."""
