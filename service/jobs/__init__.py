"""Work done after the answer: one queue of tasks, and the limited process that photos go to."""

from service.jobs.protocol import Jobs, Outcome, PhotoQuestions, PhotoWork

__all__ = ["Jobs", "Outcome", "PhotoQuestions", "PhotoWork"]
