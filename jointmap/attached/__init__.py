"""Files that strangers sent: taken apart in a process of their own; copies of them."""
