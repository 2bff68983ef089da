# office-map
