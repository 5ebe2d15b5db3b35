"""Numbers for the desk's SVG drawings. They get their places here; nothing is found."""
