package rebuild

// mayGoBack refuses an item against which something stands.
func (r *Rebuild) mayGoBack(s StripItem) error { return nil }
