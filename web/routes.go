package web

import (
	"net/http"
	"strings"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
)

// routes is the whole map. GET never changes anything; every POST ends in a
// page with the faults or in 303.
func (s *server) routes(hosts []string) http.Handler {
	r := chi.NewRouter()
	r.Use(secureHeaders, allowHosts(hosts), s.logRequests, s.recoverPanics,
		http.NewCrossOriginProtection().Handler, limitBody, s.onlyEncrypted, s.byKey, s.guard, middleware.GetHead, middleware.Compress(5))
	r.NotFound(s.do(noPage))
	r.MethodNotAllowed(s.do(noPage))

	r.Get("/", s.do(s.start))
	r.Get("/days", s.do(s.daysPage))
	r.Post("/days", s.do(s.createDay))
	r.Get("/days/{day}", s.do(s.dayPage))
	r.Get("/days/{day}/now", s.do(s.nowPage))
	r.Get("/days/{day}/sheet", s.do(s.sheetPage))
	r.Get("/days/{day}/calendar.ics", s.do(s.calendar))
	r.Get("/days/{day}/day.csv", s.do(s.dayTable))
	r.Get("/days/{day}/bench", s.do(s.benchPage))
	r.Get("/days/{day}/labels", s.do(s.labelsPage))
	r.Get("/days/{day}/foot.css", s.do(s.pageFoot))
	r.Get("/days/{day}/plan", s.do(s.planPage))
	r.Post("/days/{day}/plan", s.do(s.savePlanPage))
	r.Get("/days/{day}/ways", s.do(s.waysPage))
	r.Post("/days/{day}/ways", s.do(s.takeWay))
	r.Post("/days/{day}/wayout", s.do(s.takeWayOut))
	r.Get("/days/{day}/calls", s.do(s.calls))
	r.Get("/days/{day}"+wentPath, s.do(s.wentPage))
	r.Get("/days/{day}/calls.csv", s.do(s.wentCalls))
	r.Get("/days/{day}/works.csv", s.do(s.wentWorks))
	r.Post("/days/{day}/tap", s.do(s.tap))
	r.Get("/days/{day}/slip", s.do(s.slipPage))
	r.Post("/days/{day}/slip", s.do(s.saySlip))
	r.Get("/days/{day}/choices", s.do(s.choicesPage))
	r.Post("/days/{day}/choices", s.do(s.choose))
	r.Get("/days/{day}/totals", s.do(s.dayTotals))
	r.Get("/days/{day}/copy", s.do(s.copyPage))
	r.Post("/days/{day}/copy", s.do(s.copyDay))
	r.Post("/days/{day}/delete", s.do(s.deleteDay))
	r.Post("/example", s.do(s.example))

	r.Get("/week", s.do(s.weekPage))
	r.Get("/week/totals", s.do(s.weekTotals))
	r.Get("/standing", s.do(s.standingPage))
	r.Post("/standing", s.do(s.saveComing))
	r.Get("/standing/new", s.do(s.newStandingPage))
	r.Post("/standing/make", s.do(s.makeByHand))
	r.Post("/standing/renew", s.do(s.renewComing))
	r.Get("/standing/{id}", s.do(s.standingOrderPage))
	r.Post("/standing/{id}", s.do(s.saveStanding))
	r.Post("/standing/{id}/delete", s.do(s.deleteStanding))

	r.Get("/breads", s.do(s.breadsPage))
	r.Get("/breads/new", s.do(s.newBreadPage))
	r.Get("/breads/import", s.do(s.importRecipePage))
	r.Post("/breads/import", s.do(s.importRecipe))
	r.Get("/breads/{id}", s.do(s.breadPage))
	r.Get("/breads/{id}/recipe.json", s.do(s.recipeFile))
	r.Get("/breads/{id}/forecast", s.do(s.forecastPage))
	r.Get("/breads/{id}/scale", s.do(s.scalePage))
	r.Post("/breads/{id}", s.do(s.saveBread))
	r.Post("/breads/{id}/delete", s.do(s.deleteBread))
	r.Get("/bases/new", s.do(s.newBasePage))
	r.Get("/bases/{id}", s.do(s.basePage))
	r.Post("/bases/{id}", s.do(s.saveBase))
	r.Post("/bases/{id}/delete", s.do(s.deleteBase))
	r.Post("/tally", s.do(s.tally))
	r.Post("/ribbon", s.do(s.ribbon))
	r.Get("/foods", s.do(s.foodsPage))
	r.Get("/foods/new", s.do(s.newFoodPage))
	r.Get("/foods/{id}", s.do(s.foodPage))
	r.Post("/foods/{id}", s.do(s.saveFood))
	r.Post("/foods/{id}/reset", s.do(s.resetFood))
	r.Get(atGuide, s.do(s.guidePage))
	r.Post(atGuide, s.do(s.saveGuide))
	r.Get(atFirstBread, s.do(s.firstBreadPage))
	r.Post(atFirstBread, s.do(s.saveFirstBread))
	r.Get("/kitchen", s.do(s.kitchenPage))
	r.Post("/kitchen", s.do(s.saveKitchen))
	r.Post(readingsPath, s.do(s.saveReading))
	r.Get("/learned", s.do(s.learnedPage))
	r.Post("/learned", s.do(s.forget))
	r.Get("/settings", s.do(s.settingsPage))
	r.Post("/settings", s.do(s.saveSettings))
	r.Get(programsPath, s.do(s.programsPage))
	r.Post(programsPath, s.do(s.letProgramIn))
	r.Post(programsPath+"/{id}/end", s.do(s.endProgram))
	r.Get(feedPath+"{secret}", s.do(s.feed))
	r.Get(strings.TrimSuffix(apiPath, "/"), s.do(s.apiPage))
	r.Get(apiPath+"days", s.do(s.apiDays))
	r.Get(apiPath+"days/{day}", s.do(s.apiDay))
	r.Get(apiPath+"days/{day}/plan", s.do(s.apiPlan))
	r.Get(apiPath+"breads", s.do(s.apiBreads))
	r.Post(apiPath+"plan", s.do(s.apiTry))
	r.Post(apiPath+"days/{day}/orders", s.do(s.apiOrder))
	r.Post(apiPath+"days/{day}/taps", s.do(s.apiTap))
	r.Get(atInout, s.do(s.inoutPage))
	r.Get(atInout+"/ovenward.json", s.do(s.exportFile))
	r.Post(atInout, s.do(s.previewImport))
	r.Post(atInout+"/take", s.do(s.takeImport))

	if s.door != nil {
		r.Get(loginPath, s.do(s.loginPage))
		r.Post(loginPath, s.do(s.logIn))
		r.Post(logoutPath, s.do(s.logOut))
		r.Post("/devices/code", s.do(s.newCode))
		r.Post("/devices/{id}/end", s.do(s.endSession))
	}
	if s.authority != nil {
		r.Get(atCertificate, s.do(s.certificatePage))
		r.Get(atCertificateFile, s.do(s.certificateFile))
	}
	r.Post("/screens", s.do(s.screen))
	r.Get("/sw.js", s.do(s.worker))
	r.Get("/favicon.ico", s.icon)
	r.Method(http.MethodGet, "/events", s.hub)
	r.Method(http.MethodGet, "/static/*", s.assets)
	return r
}

func noPage(_ http.ResponseWriter, r *http.Request) error {
	if forPrograms(r) {
		return &Error{http.StatusNotFound, "Nothing is to be had here by " + r.Method + ".", "See /api for what may be asked.", ""}
	}
	return errNoPage
}

var errNoPage = &Error{http.StatusNotFound, "There is no such page.", "Go to the start page, or choose from the menu above.", ""}
