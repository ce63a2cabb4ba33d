"""What the commands do, one function each; `tui.command` finds them by name."""
