# office-review
