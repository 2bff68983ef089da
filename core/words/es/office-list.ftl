# office-list
