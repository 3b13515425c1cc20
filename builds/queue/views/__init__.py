"""The pages of dates: the line, its order, what can be promised, what if, and its rules."""
