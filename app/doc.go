// Package app is the web app: it parses what people type, asks who may do what, calls the store and draws pages.
//
// A handler is a method of App that takes a *gin.Context and returns an error; one adapter (handler.go) signs people in,
// checks the right named in the route table (routes.go) and turns errors into answers (errors.go). A form is one
// function for each kind of record, read in both directions (form.go). Words come from the catalogue, SQL stays in
// records, arithmetic stays in hazards.
package app
