// Package web serves the workbench's pages: semantic HTML rendered on the
// server, complete without JavaScript; with it, parts of a page are replaced in
// place (htmx) and drafts survive a lost signal.
//
// routes.go is the site map. A page is one file named for the thing and what is
// done with it (finding_add.go), a template in templates/pages, and, where it
// needs one, a style sheet in assets/css. Page data are typed structs that embed
// [Frame]. Handlers return an error; respond.go alone turns errors into
// responses. Nothing but loopback is served unless asked for; see guard.go.
package web
