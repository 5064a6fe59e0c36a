// Package plan walks the whole picture: job to outline, jaws, grip, heat, fit
// and bore plan. It is the only place where fixture, fits and thermal meet, and
// it does no physics of its own.
package plan
