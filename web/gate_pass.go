package web

import (
	"net/http"
	"slices"
	"time"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// gatePass passes a gate, against advice with a reason.
func (s *Server) gatePass(w http.ResponseWriter, r *http.Request) error {
	rb, which, err := s.gateOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	now := s.now().Format(time.RFC3339)
	_, record, err := s.workshop.PassGate(r.Context(), s.by(r), rb.ID, which, now, f.Value("seal"), f.Value("reason"))
	if err == nil {
		return s.goOn(w, r, withDid(Frame{Rebuild: rb}.GatePath(which), record.ID))
	}
	return s.gateRefused(w, r, rb.ID, which, f, err)
}

// gateRefused shows the gate anew, as the book has it by now, with what was typed.
func (s *Server) gateRefused(w http.ResponseWriter, r *http.Request, id int64, which rebuild.Gate, f *Form, err error) error {
	if !f.take(err) {
		return err
	}
	rb, err := s.workshop.Book().Load(r.Context(), id)
	if err != nil {
		return err
	}
	return s.gateForm(w, r, http.StatusUnprocessableEntity, rb, which, f)
}

// gateWithdraw takes a pass back.
func (s *Server) gateWithdraw(w http.ResponseWriter, r *http.Request) error {
	rb, which, err := s.gateOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	pass, rev, now := f.whole("pass", "the pass"), f.rev(), s.now().Format(time.RFC3339)
	return s.gateChange(w, r, rb, which, f, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.WithdrawPass(pass, rev, now, f.Value("why"))
	})
}

// gateConfirm keeps the word of whoever ticks for cautions read and for what the
// law asks for.
func (s *Server) gateConfirm(w http.ResponseWriter, r *http.Request) error {
	rb, which, err := s.gateOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	words := s.wordsGiven(r, rb, which, f)
	return s.gateChange(w, r, rb, which, f, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.Confirm(words...) })
}

// gateChange makes a change that belongs to a gate and goes back there, or shows
// the gate with what was wrong.
func (s *Server) gateChange(w http.ResponseWriter, r *http.Request, rb *rebuild.Rebuild, which rebuild.Gate, f *Form,
	change func(*rebuild.Rebuild) (rebuild.Change, error),
) error {
	err := s.change(w, r, change, func(store.Record) string { return Frame{Rebuild: rb}.GatePath(which) })
	if err == nil {
		return nil
	}
	return s.gateRefused(w, r, rb.ID, which, f, err)
}

// wordsGiven are the boxes that were ticked, of those that stand at the gate.
func (s *Server) wordsGiven(r *http.Request, rb *rebuild.Rebuild, which rebuild.Gate, f *Form) []rebuild.Confirmation {
	var words []rebuild.Confirmation
	give := func(of rebuild.Confirmed, key, text string) {
		words = append(words, rebuild.Confirmation{Of: of, Key: key, Text: cut(text), At: s.now().Format(time.RFC3339), By: who(r)})
	}
	for _, hazard := range f.Values["caution"] {
		if c, ok := knowledge.CautionFor(hazard); ok {
			give(rebuild.ConfirmCaution, c.Hazard, c.Name)
		}
	}
	at := mustDosAt(rb, which, s.today())
	for _, key := range f.Values["must-do"] {
		if i := slices.IndexFunc(at, func(m workshop.MustDo) bool { return m.Key == key }); i >= 0 {
			give(rebuild.ConfirmMustDo, key, at[i].Text)
		}
	}
	return words
}

// cut keeps what a confirmation can hold of a text.
func cut(text string) string {
	runes := []rune(text)
	return string(runes[:min(len(runes), 1000)])
}

// gateTakeBack takes a word back: it is so no more.
func (s *Server) gateTakeBack(w http.ResponseWriter, r *http.Request) error {
	rb, which, err := s.gateOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	word, rev := f.whole("word", "the word"), f.rev()
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.TakeBackWord(word, rev) },
		func(store.Record) string { return Frame{Rebuild: rb}.GatePath(which) })
}
