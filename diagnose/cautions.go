package diagnose

const nothingLeft = "Nothing is left in the model: every repair that could cure has been done and did not. Add the fault that is missing, another repair, or the price of the whole unit."
