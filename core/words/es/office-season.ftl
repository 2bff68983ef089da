# office-season
