package slips

// mostLetters is the longest word that is compared; nobody means one by another
// beyond it.
const mostLetters = 64

// Between is the number of letters (bytes) added, left out or changed between two
// words; 64 where one of them is longer than that.
func Between(a, b string) int {
	if len(a) > mostLetters || len(b) > mostLetters {
		return mostLetters
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
