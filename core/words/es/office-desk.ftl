# office-desk
