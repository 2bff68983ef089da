# office-take-in
