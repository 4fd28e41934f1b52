"""From plan text to a syntax tree. `parse` is the only module that knows Lark."""
