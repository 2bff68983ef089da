# office-inquiry
