"""plandoc compiles a written furniture plan into a drawing packet for the shop."""

__version__ = "0.1.0"
