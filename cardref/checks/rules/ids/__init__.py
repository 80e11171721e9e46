"""Whether ids keep their meaning over time."""
