# office-registry
