package web

import (
	"net/http"

	"wreckwright/rebuild"
)

// routes is the site map: every address the workbench answers.
func (s *Server) routes() http.Handler {
	mux := http.NewServeMux()
	on := func(pattern string, h handler) { mux.Handle(pattern, s.page(h)) }

	// The yard: all rebuilds.
	on("GET /{$}", s.yardShow)
	on("GET /new", s.rebuildNewShow)
	on("POST /new", s.rebuildNew)
	on("POST /who", s.whoSet)

	// Before buying: candidates side by side, and each of them.
	on("GET /appraise", s.appraiseList)
	on("GET /r/{rebuild}/appraise", s.appraiseShow)
	on("POST /r/{rebuild}/appraise/worth", s.appraiseWorth)
	on("POST /r/{rebuild}/appraise/fees", s.appraiseFees)
	on("POST /r/{rebuild}/appraise/story", s.appraiseStory)
	on("POST /r/{rebuild}/appraise/event", s.appraiseEvent)
	on("POST /r/{rebuild}/appraise/buy", s.appraiseBuy)

	// One rebuild.
	on("GET /r/{rebuild}", s.rebuildShow)
	on("GET /r/{rebuild}/now", s.nowShow)
	on("GET /r/{rebuild}/car", s.carShow)
	on("POST /r/{rebuild}/car", s.carEdit)
	on("GET /r/{rebuild}/stages/{stage}", s.stageShow)
	on("POST /r/{rebuild}/stages/{stage}", s.stageEdit)
	on("GET /r/{rebuild}/zones/{zone}", s.zoneShow)
	on("POST /r/{rebuild}/zones/{zone}", s.zoneEdit)
	on("GET /r/{rebuild}/walk", s.walkShow)
	on("POST /r/{rebuild}/walk", s.walkNote)

	on("GET /r/{rebuild}/history", s.historyShow)
	on("POST /r/{rebuild}/undo", s.undo)
	on("POST /r/{rebuild}/redo", s.redo)

	on("GET /r/{rebuild}/findings", s.findingsShow)
	on("POST /r/{rebuild}/findings", s.findingAdd)
	on("GET /r/{rebuild}/findings/{finding}", s.findingShow)
	on("POST /r/{rebuild}/findings/{finding}", s.findingEdit)
	on("GET /r/{rebuild}/findings/{finding}/delete", s.findingShow)
	on("POST /r/{rebuild}/findings/{finding}/delete", s.deletes("finding", "/findings", (*rebuild.Rebuild).DeleteFinding))

	on("GET /r/{rebuild}/jobs", s.jobsShow)
	on("GET /r/{rebuild}/jobs.csv", s.jobsCSV)
	on("GET /r/{rebuild}/jobs/new", s.jobNewShow)
	on("POST /r/{rebuild}/jobs", s.jobAdd)
	on("GET /r/{rebuild}/jobs/{job}", s.jobShow)
	on("GET /r/{rebuild}/jobs/{job}/edit", s.jobEditShow)
	on("POST /r/{rebuild}/jobs/{job}", s.jobEdit)
	on("POST /r/{rebuild}/jobs/{job}/delete", s.deletes("job", "/jobs", (*rebuild.Rebuild).DeleteJob))
	on("POST /r/{rebuild}/jobs/{job}/choose", s.jobChoose)
	on("POST /r/{rebuild}/jobs/{job}/outcome", s.jobOutcome)
	on("GET /r/{rebuild}/jobs/{job}/routes/new", s.routeNewShow)
	on("POST /r/{rebuild}/jobs/{job}/routes", s.routeAdd)
	on("GET /r/{rebuild}/jobs/{job}/routes/{route}", s.routeShow)
	on("POST /r/{rebuild}/jobs/{job}/routes/{route}", s.routeEdit)
	on("POST /r/{rebuild}/jobs/{job}/routes/{route}/delete", s.routeDelete)

	on("GET /r/{rebuild}/ledger", s.ledgerShow)
	on("GET /r/{rebuild}/ledger.csv", s.ledgerCSV)
	on("POST /r/{rebuild}/ledger", s.entryAdd)
	on("GET /r/{rebuild}/ledger/{entry}", s.entryShow)
	on("POST /r/{rebuild}/ledger/{entry}", s.entryEdit)
	on("POST /r/{rebuild}/ledger/{entry}/delete", s.deletes("entry", "/ledger", (*rebuild.Rebuild).DeleteEntry))
	on("POST /r/{rebuild}/ledger/{entry}/job", s.entryAssign)
	on("POST /r/{rebuild}/jobs/{job}/no-cost", s.ledgerNoCost)
	on("GET /r/{rebuild}/ledger/import", s.importShow)
	on("POST /r/{rebuild}/ledger/import", s.importPreview)
	on("POST /r/{rebuild}/ledger/import/save", s.importSave)

	// The bench: instruments, and the evidence they gave.
	on("GET /r/{rebuild}/bench", s.benchShow)
	on("GET /r/{rebuild}/bench/stopwatch", s.stopwatchShow)
	on("POST /r/{rebuild}/bench/stopwatch", s.stopwatchMeasure)
	on("GET /r/{rebuild}/bench/recharge", s.logShow)
	on("POST /r/{rebuild}/bench/recharge", s.logTake)
	on("POST /r/{rebuild}/bench/recharge/save", s.logSave)
	on("GET /r/{rebuild}/bench/listen", s.earShow)
	on("POST /r/{rebuild}/bench/listen", s.earTake)
	on("POST /r/{rebuild}/bench/listen/save", s.earSave)
	on("GET /r/{rebuild}/bench/readings", s.logReadingsShow)
	on("GET /r/{rebuild}/bench/joint", s.jointBenchShow)
	on("GET /r/{rebuild}/bench/bond", s.bondShow)
	on("GET /r/{rebuild}/bench/check", s.checkListShow)
	on("GET /r/{rebuild}/bench/check/{quantity}", s.checkShow)
	on("POST /r/{rebuild}/bench/check/{quantity}", s.checkMeasure)
	on("GET /r/{rebuild}/bench/codes", s.codesShow)
	on("POST /r/{rebuild}/bench/codes", s.codesMeasure)
	on("GET /r/{rebuild}/bench/evidence/{evidence}", s.evidenceShow)
	on("POST /r/{rebuild}/bench/evidence/{evidence}", s.evidenceEdit)
	on("GET /r/{rebuild}/bench/evidence/{evidence}/finding", s.evidenceShow)
	on("POST /r/{rebuild}/bench/evidence/{evidence}/finding", s.codeFinding)
	on("GET /r/{rebuild}/bench/evidence/{evidence}/delete", s.evidenceShow)
	on("POST /r/{rebuild}/bench/evidence/{evidence}/delete", s.deletes("evidence", "/bench", (*rebuild.Rebuild).DeleteEvidence))

	// Which fault it is: cases, and the fault model of each.
	on("GET /r/{rebuild}/cases", s.casesShow)
	on("GET /r/{rebuild}/cases/new", s.caseNewShow)
	on("POST /r/{rebuild}/cases", s.caseAdd)
	on("GET /r/{rebuild}/cases/{case}", s.caseShow)
	on("POST /r/{rebuild}/cases/{case}", s.caseEdit)
	on("POST /r/{rebuild}/cases/{case}/step", s.caseStep)
	on("POST /r/{rebuild}/cases/{case}/trail", s.caseTrail)
	on("POST /r/{rebuild}/cases/{case}/not-now", s.caseNotNow)
	on("POST /r/{rebuild}/cases/{case}/end", s.caseEnd)
	on("POST /r/{rebuild}/cases/{case}/job", s.caseJob)
	on("POST /r/{rebuild}/cases/{case}/delete", s.deletes("case", "/cases", (*rebuild.Rebuild).DeleteCase))
	on("GET /r/{rebuild}/cases/{case}/file", s.caseFile)
	on("GET /r/{rebuild}/cases/{case}/model", s.modelShow)
	on("POST /r/{rebuild}/cases/{case}/model", s.modelEdit)

	// Joints that are tightened and recorded, and the tools for it.
	on("GET /r/{rebuild}/joints", s.jointsShow)
	on("GET /r/{rebuild}/joints/new", s.jointNewShow)
	on("GET /r/{rebuild}/joints/sheet", s.jointSheetShow)
	on("POST /r/{rebuild}/joints", s.jointAdd)
	on("GET /r/{rebuild}/joints/{joint}", s.jointShow)
	on("GET /r/{rebuild}/joints/{joint}/edit", s.jointEditShow)
	on("POST /r/{rebuild}/joints/{joint}", s.jointEdit)
	on("GET /r/{rebuild}/joints/{joint}/tighten", s.tightenShow)
	on("POST /r/{rebuild}/joints/{joint}/tighten", s.jointTighten)
	on("POST /r/{rebuild}/joints/{joint}/check", s.jointCheck)
	on("POST /r/{rebuild}/joints/{joint}/undone", s.jointUndone)
	on("POST /r/{rebuild}/joints/{joint}/delete", s.deletes("joint", "/joints", (*rebuild.Rebuild).DeleteJoint))
	on("GET /r/{rebuild}/tools", s.toolsShow)
	on("POST /r/{rebuild}/tools", s.toolAdd)
	on("GET /r/{rebuild}/tools/{tool}", s.toolShow)
	on("POST /r/{rebuild}/tools/{tool}", s.toolEdit)
	on("POST /r/{rebuild}/tools/{tool}/compare", s.toolCompare)
	on("POST /r/{rebuild}/tools/{tool}/delete", s.deletes("tool", "/tools", (*rebuild.Rebuild).DeleteTool))

	// What comes off, in order, and how it goes back.
	on("GET /r/{rebuild}/strip", s.stripShow)
	on("POST /r/{rebuild}/strip", s.stripAdd)
	on("GET /r/{rebuild}/strip/labels", s.labelShow)
	on("POST /r/{rebuild}/strip/labels", s.labelPrinted)
	on("GET /r/{rebuild}/strip/labels.svg", s.labelFile)
	on("GET /r/{rebuild}/strip/{item}", s.stripItemShow)
	on("POST /r/{rebuild}/strip/{item}", s.stripEdit)
	on("POST /r/{rebuild}/strip/{item}/more", s.stripMore)
	on("POST /r/{rebuild}/strip/{item}/marks", s.stripMarks)
	on("POST /r/{rebuild}/strip/{item}/back", s.refitBack)
	on("POST /r/{rebuild}/strip/{item}/tick", s.refitTick)
	on("POST /r/{rebuild}/strip/{item}/delete", s.deletes("item", "/strip", (*rebuild.Rebuild).DeleteStripItem))
	on("GET /r/{rebuild}/refit", s.refitShow)
	on("POST /r/{rebuild}/refit/buy", s.refitBuy)

	// The signed record for whoever inspects, insures or buys the car.
	on("GET /r/{rebuild}/build-file", s.buildFileShow)
	on("POST /r/{rebuild}/build-file", s.buildFileMake)
	on("GET /r/{rebuild}/build-file/making", s.buildFileMaking)
	on("GET /r/{rebuild}/build-file/{name}", s.buildFileDownload)

	// Proof: the gates, the first drives, the inspection rehearsed.
	on("GET /r/{rebuild}/gates", s.gatesShow)
	on("GET /r/{rebuild}/gates/{gate}", s.gateShow)
	on("POST /r/{rebuild}/gates/{gate}/pass", s.gatePass)
	on("POST /r/{rebuild}/gates/{gate}/withdraw", s.gateWithdraw)
	on("POST /r/{rebuild}/gates/{gate}/confirm", s.gateConfirm)
	on("POST /r/{rebuild}/gates/{gate}/take-back", s.gateTakeBack)
	on("GET /r/{rebuild}/shakedown", s.shakedownShow)
	on("GET /r/{rebuild}/shakedown/{stage}", s.driveShow)
	on("POST /r/{rebuild}/shakedown/{stage}", s.driveAdd)
	on("GET /r/{rebuild}/shakedown/{stage}/{run}", s.runShow)
	on("POST /r/{rebuild}/shakedown/{stage}/{run}", s.runEdit)
	on("GET /r/{rebuild}/shakedown/{stage}/{run}/finding", s.runFoundShow)
	on("POST /r/{rebuild}/shakedown/{stage}/{run}/finding", s.runFound)
	on("GET /r/{rebuild}/shakedown/{stage}/{run}/delete", s.runShow)
	on("POST /r/{rebuild}/shakedown/{stage}/{run}/delete", s.deletes("run", "/shakedown", (*rebuild.Rebuild).DeleteShakedownRun))
	on("GET /r/{rebuild}/inspection", s.inspectionShow)
	on("GET /r/{rebuild}/official-test", s.officialNewShow)
	on("POST /r/{rebuild}/official-test", s.officialAdd)
	on("GET /r/{rebuild}/official-tests/{test}", s.officialShow)
	on("POST /r/{rebuild}/official-tests/{test}", s.officialEdit)
	on("POST /r/{rebuild}/official-tests/{test}/delete", s.deletes("test", "/inspection", (*rebuild.Rebuild).DeleteOfficialTest))
	on("GET /r/{rebuild}/inspection/{item}", s.inspectedShow)
	on("POST /r/{rebuild}/inspection/{item}", s.inspectedSave)
	on("POST /r/{rebuild}/inspection/{item}/forget", s.inspectedForget)

	on("GET /r/{rebuild}/money", s.moneyShow)
	on("GET /r/{rebuild}/money/what-if", s.whatIfShow)

	if s.options.Dev != "" {
		on("GET /gallery", s.galleryShow)
	}

	// Files and assets.
	on("GET /files/{hash}", s.fileShow)
	on("GET /files/{hash}/thumb", s.fileThumb)
	on("GET /assets/", s.assetShow)
	on("GET /", func(http.ResponseWriter, *http.Request) error {
		return notFound("There is no such page. The yard lists all rebuilds.")
	})
	return mux
}
