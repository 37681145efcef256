"""A scene: the things that move, what pulls or pushes them, what is asked (ground floor; knows no mechanics)."""
