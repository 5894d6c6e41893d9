"""One least-squares adjustment per wall; every feature is an observation in it."""
