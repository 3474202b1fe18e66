//! Widgets of the window. Each takes plain data defined beside it and draws with the painter.
