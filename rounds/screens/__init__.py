"""The full-screen app: the only folder that imports Textual."""
