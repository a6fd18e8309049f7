//! The stitch grid: one widget with tools, zoom, numbers and a keyboard cursor.
