"""Long work: questions too long for a page, put into a table, worked by a process of their own, answers kept."""
