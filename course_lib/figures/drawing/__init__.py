"""What figures are drawn with: elements, colours, axes."""
