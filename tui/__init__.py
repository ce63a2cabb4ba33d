"""The command and the screens: they ask the engine and show; they decide nothing about plants or dates."""
