# Everything a person types. Each target is one line or one script in scripts/.

.PHONY: build demo test test-needs lint fuzz bench goldens references clean

build: ## the program, in bin/wreckwright
	go build -o bin/wreckwright ./cmd/wreckwright

demo: build ## serve the invented example book
	./bin/wreckwright demo

test: test-needs ## all tests, browser tests included
	go test -count=1 -timeout 9m ./...

test-needs: ## install what the tests need where it is missing
	./scripts/install-test-needs.sh

lint: ## gofmt, gofumpt, go vet, staticcheck
	./scripts/lint.sh

fuzz: ## every fuzz target for a short time; FUZZTIME=1m for longer
	./scripts/fuzz.sh $(or $(FUZZTIME),20s)

bench: ## every benchmark once
	go test -run '^$$' -bench . -benchmem ./...

goldens: ## rewrite the golden files; read the diff before committing
	./scripts/goldens.sh

references: ## rewrite docs/REFERENCES.md out of the register and the tests
	go test ./knowledge -count=1 -run '^TestReferencesPageIsCurrent$$' -update

clean: ## remove what was built
	rm -rf bin
