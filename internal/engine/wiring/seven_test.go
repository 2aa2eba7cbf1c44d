package wiring
import ("testing";"context";"time";"fmt";"runtime";"math/rand/v2")
func TestSeven(t *testing.T){
 for n:=7;n<=8;n++ {
 for k:=range 3 {
  if n==8 && k==2 {continue}
  rng := rand.New(rand.NewPCG(7, uint64(k)))
  q := randomQuestion(rng, bankShape{n: n, rows: 2, stud: true, jitter: 0.08, unequal: k%2 == 1})
  q.Budget.Trees=6000000
  var ms runtime.MemStats
  runtime.GC(); runtime.ReadMemStats(&ms); a0:=ms.TotalAlloc
  t0:=time.Now()
  a,err:=Search(context.Background(), q)
  if err!=nil {t.Fatal(err)}
  runtime.ReadMemStats(&ms)
  fmt.Printf("n %d k %d: %.2f s, sys %d MB alloc %d MB, solved %d front %d exact %v space %v\n",n,k,time.Since(t0).Seconds(),ms.Sys>>20,(ms.TotalAlloc-a0)>>20,a.Solved,len(a.Front),a.Exact,a.Space)
 }}
}
