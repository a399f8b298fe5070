"""A terminal whose lines are typed beforehand."""


class Terminal:
    """Types the given lines and keeps what is shown."""

    def __init__(self, *typed):
        self.typed = list(typed)
        self.text = ""
        self.prompts = []

    def ask(self, prompt):
        self.prompts.append(prompt)
        if not self.typed:
            raise EOFError
        return self.typed.pop(0)

    def say(self, text):
        self.text += f"{text}\n"
