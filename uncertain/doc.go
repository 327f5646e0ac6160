// Package uncertain is the shared mathematics of doubt.
package uncertain
